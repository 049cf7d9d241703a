"""The trade: tables, visits, leveling, history, printed documents, care page, command line."""
