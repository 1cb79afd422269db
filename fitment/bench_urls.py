"""Addresses of the bench and of ways to clear."""

from django.urls import path

from fitment.views import bench

urlpatterns = [
    path("bench/", bench.bench, name="bench"),
    path("orders/<int:pk>/bench/", bench.order_bench, name="order_bench"),
]
