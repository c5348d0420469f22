"""What a person says of car, clutch and strips, and the words and units it is said in."""
