"""slipledger: from handwritten timeslips to the next clutch setting."""
