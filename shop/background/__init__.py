"""Work off the request: tasks with progress, cancelled by people, resumed after a kill.

A table of its own rather than a task library: those looked at leave what a killed worker had
claimed as running for ever, and know neither progress nor cancelling; and a shop that starts no
worker is to be served, too. A task is held by a lease. The worker renews the lease as it tells
its progress, and any other worker takes over a task whose lease ran out.
"""
