"""Addresses of bookings, of the day and week, of opening hours and of calendar feeds."""

from django.urls import URLPattern, URLResolver, path

from shop.calendar import feed_views, opening_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/book/", views.booking_new, name="booking_new"),
    path("bookings/<int:pk>/move/", views.booking_move, name="booking_move"),
    path("bookings/<int:pk>/no-show/", views.booking_no_show, name="booking_no_show"),
    path("bookings/<int:pk>/cancel/", views.booking_cancel, name="booking_cancel"),
    path("day/", views.day_sheet, name="day_sheet"),
    path("day/<str:date>/", views.day_sheet, name="day_sheet"),
    path("week/", views.week_sheet, name="week_sheet"),
    path("week/<str:date>/", views.week_sheet, name="week_sheet"),
    path("opening-hours/", opening_views.opening_hours, name="opening_hours"),
    path("feeds/", feed_views.feeds, name="feeds"),
    path("feeds/new/", feed_views.feed_new, name="feed_new"),
    path("feeds/<int:pk>/renew/", feed_views.feed_renew, name="feed_renew"),
    path("feeds/<int:pk>/end/", feed_views.feed_end, name="feed_end"),
    path("feeds/<int:pk>/<str:token>.ics", feed_views.feed, name="feed"),
]
