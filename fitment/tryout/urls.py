"""Addresses of the try-out and of options."""

from django.urls import URLPattern, URLResolver, path

from fitment.tryout import option_views, views, widest_views

urlpatterns: list[URLPattern | URLResolver] = [
    path("tryout/", views.tryout, name="tryout"),
    path("orders/<int:pk>/tryout/", views.order_tryout, name="order_tryout"),
    path("tryout/widest/", widest_views.widest, name="widest"),
    path("tryout/options/", option_views.tryout_options, name="tryout_options"),
    path("orders/<int:pk>/options/", option_views.order_options, name="order_options"),
    path("options/<int:pk>/", option_views.option_search, name="option_search"),
]
