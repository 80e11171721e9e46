"""A user's own specimens, wants and observed sales: read, checked, compared with what is recorded, told on.

Nothing here is sent anywhere, nothing is estimated, and nothing authenticates a card.
"""
