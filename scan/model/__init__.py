"""The digit network: its weights, and the script that made them."""
