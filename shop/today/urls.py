"""Addresses of Today."""

from django.urls import URLPattern, URLResolver, path

from shop.today import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.home, name="home"),
    path("today/first-steps/hide/", views.first_steps_hide, name="first_steps_hide"),
    path("today/news/seen/", views.news_all_seen, name="news_all_seen"),
    path("today/news/<int:pk>/", views.news_open, name="news_open"),
    path("today/<slug:name>/", views.today_list, name="today_list"),
]
