"""Addresses of photographs and files."""

from django.urls import URLPattern, URLResolver, path

from shop.files import customer_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/files/", views.order_files, name="order_files"),
    path("vehicles/<int:pk>/files/", views.vehicle_files, name="vehicle_files"),
    path("car-models/<int:pk>/files/<str:corner>/", views.corner_files, name="corner_files"),
    path("files/<int:pk>/", views.file, name="file"),
    path("files/<int:pk>/thumb/", views.file_thumb, name="file_thumb"),
    path("files/<int:pk>/edit/", views.file_edit, name="file_edit"),
    path("files/<int:pk>/remove/", views.file_remove, name="file_remove"),
    path("c/<str:token>/files/<int:pk>/", customer_views.customer_file, name="customer_file"),
    path(
        "c/<str:token>/files/<int:pk>/thumb/",
        customer_views.customer_file_thumb,
        name="customer_file_thumb",
    ),
]
