"""Addresses of the bench and of ways to clear."""

from django.urls import path

from fitment.views import bench, ways

urlpatterns = [
    path("bench/", bench.bench, name="bench"),
    path("orders/<int:pk>/bench/", bench.order_bench, name="order_bench"),
    path("bench/ways/", ways.bench_ways, name="bench_ways"),
    path("orders/<int:pk>/ways/", ways.order_ways, name="order_ways"),
    path("ways/<int:pk>/", ways.ways_search, name="ways_search"),
    path("ways/<int:pk>/step/", ways.ways_step, name="ways_step"),
    path("ways/<int:pk>/stop/", ways.ways_stop, name="ways_stop"),
]
