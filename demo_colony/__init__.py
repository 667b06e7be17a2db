"""An invented colony of central bearded dragons: nobody and nothing in it exists.

`write.entries` gives its logbook for any day, `write.write` puts it on disk as a colony folder.
"""
