"""What is written on cards and in listings: text to frozen values and back, with no dataset needed.

Each module is one way of writing and is its own manual. Nothing is imported here, so that using one of
them does not pay for the others; the public names are exposed by :mod:`cardref` itself.
"""
