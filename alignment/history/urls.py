"""The address of a vehicle's readings over the years."""

from django.urls import URLPattern, URLResolver, path

from alignment.history import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("vehicles/<int:pk>/readings/", views.vehicle_readings, name="vehicle_readings"),
]
