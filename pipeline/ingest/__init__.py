"""Sheets as typed, into typed and questioned tables."""
