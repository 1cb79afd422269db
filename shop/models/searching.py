"""One way to search a list by words."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import ClassVar, Self, TypeVar

from django.db import models

Row = TypeVar("Row", bound=models.Model)


class SearchedQuerySet(models.QuerySet[Row]):
    """Rows that are searched by words in the fields that ``searched_fields`` names."""

    searched_fields: ClassVar[tuple[str, ...]]

    def search(self, words: str) -> Self:
        """Rows that hold every one of the words, each in any searched field; case is ignored.

        A row can come more than once where a searched field lies on the far side of a
        one-to-many relation.
        """
        found = self
        for word in words.split():
            anywhere = (models.Q((f"{name}__icontains", word)) for name in self.searched_fields)
            found = found.filter(reduce(or_, anywhere))
        return found
