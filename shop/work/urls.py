"""Addresses of the work at the car."""

from django.urls import URLPattern, URLResolver, path

from shop.work import torque_views, views

urlpatterns: list[URLPattern | URLResolver] = [
    path("orders/<int:pk>/installed/", views.installed_new, name="installed_new"),
    path("orders/<int:pk>/torque/", torque_views.torque_sign, name="torque_sign"),
    path("orders/<int:pk>/torque/loosen/", torque_views.torque_loosen, name="torque_loosen"),
    path("orders/<int:pk>/not-fitted/", torque_views.not_fitted, name="not_fitted"),
    path("orders/<int:pk>/road-test/", views.road_test, name="road_test"),
    path("orders/<int:pk>/hand-over/", views.hand_over, name="hand_over"),
    path("orders/<int:pk>/comeback/", views.comeback_new, name="comeback_new"),
    path("orders/<int:pk>/comeback/photo/", views.comeback_photo, name="comeback_photo"),
]
