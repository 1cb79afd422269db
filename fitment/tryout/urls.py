"""Addresses of the bench and of ways to clear."""

from django.urls import URLPattern, URLResolver, path

from fitment.tryout import option_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("tryout/", views.tryout, name="tryout"),
    path("orders/<int:pk>/tryout/", views.order_tryout, name="order_tryout"),
    path("tryout/options/", option_views.tryout_ways, name="tryout_ways"),
    path("orders/<int:pk>/options/", option_views.order_options, name="order_options"),
    path("options/<int:pk>/", option_views.option_search, name="option_search"),
]
