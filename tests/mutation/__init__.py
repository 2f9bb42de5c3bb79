"""The mutation bench: one mistake at every place of correct jobs, and whether the checker says it.

Run it by name: `python -m tests.mutation`. What is expected of each mistake is worked out from what the
sample declares (functions, internals), and never by asking a rule.
"""
