"""What happened without the staff's doing, until each of them has looked at it."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.orders import WorkOrder
from shop.models.people import Role, User


class NewsKind(models.TextChoices):
    SIGNED = "signed", _("Approved by the customer")
    DECLINED = "declined", _("Declined by the customer")
    ASKED = "asked", _("The customer asks")
    CHOSE = "chose", _("The customer chose")
    COMEBACK = "comeback", _("Comeback")
    EVIDENCE = "evidence", _("Evidence that moved a survey")


#: Who is told of what; a manager of everything.
TOLD_TO = {
    NewsKind.SIGNED: (Role.WRITER,),
    NewsKind.DECLINED: (Role.WRITER,),
    NewsKind.ASKED: (Role.WRITER,),
    NewsKind.CHOSE: (Role.WRITER,),
    NewsKind.COMEBACK: (Role.WRITER, Role.TECHNICIAN),
    NewsKind.EVIDENCE: (Role.TECHNICIAN,),
}


class NewsQuerySet(models.QuerySet["News"]):
    def unseen_by(self, user: User) -> NewsQuerySet:
        """What concerns a person, came since they are here, and was not looked at by them."""
        kinds = [kind for kind, roles in TOLD_TO.items() if user.has_role(*roles)]
        seen = NewsSeen.objects.filter(news=models.OuterRef("pk"), user=user)
        return self.filter(kind__in=kinds, at__gte=user.date_joined).exclude(models.Exists(seen))


class News(models.Model):
    """One thing that happened on an order; ``by`` is who of the staff did it, if one did."""

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="news")
    kind = models.CharField(max_length=10, choices=NewsKind.choices)
    detail = models.TextField(blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    at = models.DateTimeField(default=timezone.now, db_index=True)

    objects = NewsQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        verbose_name_plural = "news"

    def __str__(self) -> str:
        return f"{self.order}: {self.kind}"


class NewsSeen(models.Model):
    """That a person has looked at a piece of news."""

    news = models.ForeignKey(News, on_delete=models.CASCADE, related_name="seen")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["news", "user"], name="news_seen_once")
        ]

    def __str__(self) -> str:
        return f"{self.news_id} by {self.user_id}"
