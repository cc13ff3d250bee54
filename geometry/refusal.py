"""The one way in which the tool says no to what it was given."""


class Refused(ValueError):
    """What was asked can't be done; the message is a whole sentence to show to a dressmaker."""
