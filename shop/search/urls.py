"""The address of the search."""

from django.urls import URLPattern, URLResolver, path

from shop.search import views

urlpatterns: list[URLPattern | URLResolver] = [path("search/", views.search, name="search")]
