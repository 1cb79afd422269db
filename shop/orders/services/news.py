"""Telling the staff what happened without their doing, and noting who has looked."""

from __future__ import annotations

from django.db.models import QuerySet

from shop.models import News, NewsKind, NewsSeen, User, WorkOrder


def news_tell(
    *, order: WorkOrder, kind: NewsKind, detail: str = "", by: User | None = None
) -> News:
    """Write down what happened, in the transaction of the act. ``by`` has seen it already."""
    news = News.objects.create(order=order, kind=kind, detail=detail, by=by)
    if by is not None:
        NewsSeen.objects.create(news=news, user=by)
    return news


def news_seen(*, news: QuerySet[News], by: User) -> int:
    """Note that a person has looked at these; how many were new to them."""
    unseen = [NewsSeen(news=one, user=by) for one in news.unseen_by(by)]  # type: ignore[attr-defined]
    if unseen:
        NewsSeen.objects.bulk_create(unseen, ignore_conflicts=True)
    return len(unseen)
