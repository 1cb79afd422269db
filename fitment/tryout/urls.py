"""Addresses of the bench and of ways to clear."""

from django.urls import URLPattern, URLResolver, path

from fitment.tryout import option_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("bench/", views.bench, name="bench"),
    path("orders/<int:pk>/bench/", views.order_bench, name="order_bench"),
    path("bench/ways/", option_views.bench_ways, name="bench_ways"),
    path("orders/<int:pk>/ways/", option_views.order_ways, name="order_ways"),
    path("ways/<int:pk>/", option_views.ways_search, name="ways_search"),
    path("ways/<int:pk>/step/", option_views.ways_step, name="ways_step"),
    path("ways/<int:pk>/stop/", option_views.ways_stop, name="ways_stop"),
]
