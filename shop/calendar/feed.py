"""Appointments as a calendar that other programs subscribe to (RFC 5545).

An event's UID stays with its appointment; SEQUENCE rises with each change; an appointment that was
cancelled or missed stays as a cancelled event, so that calendars take it out. Times are UTC. Who
has the address can read it, so an event names order, car and plate, and no telephone number.
"""

from __future__ import annotations

import datetime as dt

from django.utils import timezone
from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from shop.models import Booking, BookingEnd, CalendarFeed, ShopSettings

#: How far back a feed goes; what is to come is in it whole.
KEPT = dt.timedelta(days=90)
#: How often a calendar is asked to look again (RFC 7986).
REFRESH = dt.timedelta(minutes=15)


def calendar_of(feed: CalendarFeed, host: str) -> bytes:
    """The feed's appointments of the last KEPT and all to come, as an iCalendar object."""
    calendar = Calendar()
    calendar.add("prodid", "-//Archroom//Appointments//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    name = f"{feed}, {ShopSettings.load().name}"
    calendar.add("name", name)
    calendar.add("refresh-interval", REFRESH, parameters={"value": "DURATION"})
    rows = Booking.on_record.filter(ends_at__gte=timezone.now() - KEPT)
    rows = (
        rows.filter(bay=feed.bay) if feed.bay is not None else rows.filter(technician=feed.person)
    )
    for booking in rows.select_related("order__vehicle", "bay", "technician"):
        calendar.add_component(_event(booking, host))
    return bytes(calendar.to_ical())


def _event(booking: Booking, host: str) -> Event:
    vehicle = booking.order.vehicle
    event = Event()
    event.add("uid", f"{booking.uid}@{host}")
    event.add("dtstamp", booking.changed_at.astimezone(dt.UTC))
    event.add("last-modified", booking.changed_at.astimezone(dt.UTC))
    event.add("dtstart", booking.starts_at.astimezone(dt.UTC))
    event.add("dtend", booking.ends_at.astimezone(dt.UTC))
    event.add("sequence", booking.changes)
    event.add("summary", " ".join(filter(None, [booking.order.number, vehicle.plate])))
    event.add("location", booking.bay.name)
    rack = [_("Needs the alignment rack.")] if booking.needs_rack else []
    words = [f"{vehicle.description}.", f"{booking.technician.shown_name}.", *rack]
    event.add("description", " ".join(words))
    stands = booking.ended == BookingEnd.STANDS
    event.add("status", "CONFIRMED" if stands else "CANCELLED")
    return event
