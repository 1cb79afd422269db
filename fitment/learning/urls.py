"""The address of comebacks."""

from django.urls import URLPattern, URLResolver, path

from fitment.learning import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("comebacks/", views.comeback_list, name="comeback_list"),
]
