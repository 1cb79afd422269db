"""Addresses of bookings and of the day sheet."""

from django.urls import URLPattern, URLResolver, path

from shop.calendar import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/book/", views.booking_new, name="booking_new"),
    path("bookings/<int:pk>/cancel/", views.booking_cancel, name="booking_cancel"),
    path("day/", views.day_sheet, name="day_sheet"),
    path("day/<str:date>/", views.day_sheet, name="day_sheet"),
]
