"""The leveling calculator: numbers in, numbers out; no store, no paper, no clock."""
