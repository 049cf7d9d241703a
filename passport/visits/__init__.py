"""One room per kind of visit: what the form asks and what its answers mean."""
