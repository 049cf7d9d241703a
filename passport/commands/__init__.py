"""The verbs of the command line: each reads its words, asks the office, prints the answer."""
