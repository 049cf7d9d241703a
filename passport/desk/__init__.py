"""The office's web pages: where people spend their day. ``table-passport desk`` serves them.

Each room of the desk is one module with its own pages; what the work means stands in
``passport.office``, which the command line calls too. What the desk itself must remember (who may
sign in, drafts of answers, how each file ended) lies in a file of its own beside the store, outside
the chain: see ``memory``.
"""
