"""Email to customers: written down with the act that it tells, sent by a worker, and followed.

SMTP knows no *exactly once*: a server may have taken a text whose sender died before it heard so.
Each try therefore has two parts. Until the server asks for the text, nothing was sent, and a
worker that dies is followed by another. While the text goes over, nothing can be known; a mail
whose worker dies then is never sent again by itself. It becomes *unsure*, which the order shows,
and people decide; sent again it keeps its Message-ID, by which mail programs tell it apart from
another one.
"""
