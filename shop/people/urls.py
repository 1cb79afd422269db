"""Addresses of accounts, of records and classes, and of what a manager sets."""

from django.contrib.auth.views import PasswordResetDoneView
from django.urls import URLPattern, URLResolver, path

from shop.people import account_views, class_views, merge_views, staff_views, views
from shop.site.sending import repeatable

urlpatterns: list[URLPattern | URLResolver] = [
    path("accounts/login/", repeatable(account_views.SignIn.as_view()), name="login"),
    path("accounts/logout/", repeatable(account_views.SignOut.as_view()), name="logout"),
    path("accounts/forgotten/", account_views.Forgotten.as_view(), name="password_reset"),
    path(
        "accounts/forgotten/sent/",
        PasswordResetDoneView.as_view(template_name="accounts/forgotten_sent.html"),
        name="password_reset_sent",
    ),
    path(
        "accounts/new-password/<uidb64>/<token>/",
        account_views.NewPassword.as_view(),
        name="password_new",
    ),
    path("accounts/", account_views.account, name="account"),
    path("accounts/password/", account_views.ChangePassword.as_view(), name="password"),
    path("customers/", views.customer_list, name="customer_list"),
    path("customers/new/", views.customer_new, name="customer_new"),
    path("customers/<int:pk>/", views.customer, name="customer"),
    path("customers/<int:pk>/edit/", views.customer_edit, name="customer_edit"),
    path("customers/<int:pk>/merge/", merge_views.customer_merge, name="customer_merge"),
    path("vehicles/<int:pk>/merge/", merge_views.vehicle_merge, name="vehicle_merge"),
    path("vehicles/", views.vehicle_list, name="vehicle_list"),
    path("vehicles/new/", views.vehicle_new, name="vehicle_new"),
    path("vehicles/<int:pk>/", views.vehicle, name="vehicle"),
    path("vehicles/<int:pk>/edit/", views.vehicle_edit, name="vehicle_edit"),
    path("car-models/", views.car_model_list, name="car_model_list"),
    path("car-models/new/", views.car_model_new, name="car_model_new"),
    path("car-models/<int:pk>/", views.car_model, name="car_model"),
    path("car-models/<int:pk>/edit/", views.car_model_edit, name="car_model_edit"),
    path("parts/", views.part_list, name="part_list"),
    path("parts/new/", views.part_new, name="part_new"),
    path("parts/<int:pk>/", views.part_edit, name="part_edit"),
    path("classes/", class_views.class_list, name="class_list"),
    path("classes/new/", class_views.class_edit, name="class_new"),
    path("classes/<int:pk>/", class_views.class_record, name="class_record"),
    path("classes/<int:pk>/edit/", class_views.class_edit, name="class_edit"),
    path("bays/", staff_views.bay_list, name="bay_list"),
    path("bays/new/", staff_views.bay_edit, name="bay_new"),
    path("bays/<int:pk>/", staff_views.bay_edit, name="bay_edit"),
    path("settings/", staff_views.shop_settings, name="shop_settings"),
    path("staff/", staff_views.staff, name="staff"),
    path("staff/new/", staff_views.staff_edit, name="staff_new"),
    path("staff/<int:pk>/", staff_views.staff_edit, name="staff_edit"),
]
