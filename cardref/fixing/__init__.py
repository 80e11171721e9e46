"""Changes to a dataset's files: layout, fixes of findings, ids that are retired, renamed, merged or split.

Everything here first works out what would change (:class:`~cardref.storage.atomic.Change`), so that it can be
shown, and writes only when it is asked to.
"""
