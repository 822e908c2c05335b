"""A glance into the workshop: a few things read by the database's own driver, without SQLAlchemy and its tables.

Those take half a second to load; a glance takes some hundredths. It only reads, and only a database of exactly the
schema that this program knows: in every other case (none there yet, another revision, busy, no driver) it says nothing
(None), and the ordinary way is taken, which mends, upgrades or says in words what is wrong.
"""
