"""What is recorded: one module a noun, frozen values that refer to each other by id.

``kinds`` is the table of them all: where each kind is kept, how its ids are built, which fields refer.
"""
