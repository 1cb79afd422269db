"""Photographs and files on orders, vehicles and surveyed corners.

Nothing leaves but through views that ask who wants it, with the type that was found in the bytes.
Photographs are drawn anew when they come (``shop.values.photos``); other files are kept as they
are and always downloaded, never shown in the site's own name.
"""
