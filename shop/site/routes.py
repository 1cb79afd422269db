"""Addresses of the shop's own pages."""

from django.urls import URLPattern, URLResolver, path

from shop.calendar import views as bookings
from shop.money import quote_views
from shop.orders import customer_views, work_views
from shop.orders import views as orders
from shop.people import class_views, staff_views
from shop.people import views as records
from shop.sheet import views as sheets

urlpatterns: list[URLPattern | URLResolver] = [
    path("", orders.home, name="home"),
    # Work orders
    path("orders/", orders.order_list, name="order_list"),
    path("orders/new/", orders.order_new, name="order_new"),
    path("orders/<int:pk>/", orders.order, name="order"),
    path("orders/<int:pk>/edit/", orders.order_edit, name="order_edit"),
    path("orders/<int:pk>/move/", orders.order_move, name="order_move"),
    path("orders/<int:pk>/wait/", orders.order_wait_view, name="order_wait"),
    path("orders/<int:pk>/notes/", orders.order_notes, name="order_notes"),
    path("orders/<int:pk>/override/", orders.gate_override, name="gate_override"),
    path("orders/<int:pk>/lines/", quote_views.order_lines, name="order_lines"),
    path("orders/<int:pk>/quote/", quote_views.quote_send, name="quote_send"),
    path("orders/<int:pk>/sign/", quote_views.quote_sign, name="quote_sign"),
    path("orders/<int:pk>/parts/", quote_views.parts_order, name="parts_order"),
    path("orders/<int:pk>/book/", bookings.booking_new, name="booking_new"),
    path("orders/<int:pk>/installed/", work_views.installed_new, name="installed_new"),
    path("orders/<int:pk>/torque/", work_views.torque_sign, name="torque_sign"),
    path("orders/<int:pk>/road-test/", work_views.road_test, name="road_test"),
    path("orders/<int:pk>/hand-over/", work_views.hand_over, name="hand_over"),
    path("orders/<int:pk>/comeback/", work_views.comeback_new, name="comeback_new"),
    path("orders/<int:pk>/comeback/photo/", work_views.comeback_photo, name="comeback_photo"),
    path("orders/<int:pk>/sheet.pdf", sheets.order_sheet, name="order_sheet"),
    path("quotes/<int:pk>/", quote_views.quote, name="quote"),
    # Time
    path("bookings/<int:pk>/cancel/", bookings.booking_cancel, name="booking_cancel"),
    path("day/", bookings.day_sheet, name="day_sheet"),
    path("day/<str:date>/", bookings.day_sheet, name="day_sheet"),
    # Records
    path("customers/", records.customer_list, name="customer_list"),
    path("customers/new/", records.customer_new, name="customer_new"),
    path("customers/<int:pk>/", records.customer, name="customer"),
    path("customers/<int:pk>/edit/", records.customer_edit, name="customer_edit"),
    path("vehicles/", records.vehicle_list, name="vehicle_list"),
    path("vehicles/new/", records.vehicle_new, name="vehicle_new"),
    path("vehicles/<int:pk>/", records.vehicle, name="vehicle"),
    path("vehicles/<int:pk>/edit/", records.vehicle_edit, name="vehicle_edit"),
    path("car-models/", records.car_model_list, name="car_model_list"),
    path("car-models/new/", records.car_model_new, name="car_model_new"),
    path("car-models/<int:pk>/", records.car_model, name="car_model"),
    path("car-models/<int:pk>/edit/", records.car_model_edit, name="car_model_edit"),
    path("parts/", records.part_list, name="part_list"),
    path("parts/new/", records.part_new, name="part_new"),
    path("parts/<int:pk>/", records.part_edit, name="part_edit"),
    path("classes/", class_views.class_list, name="class_list"),
    path("classes/new/", class_views.class_edit, name="class_new"),
    path("classes/<int:pk>/", class_views.class_record, name="class_record"),
    path("classes/<int:pk>/edit/", class_views.class_edit, name="class_edit"),
    # The manager's
    path("bays/", staff_views.bay_list, name="bay_list"),
    path("bays/new/", staff_views.bay_edit, name="bay_new"),
    path("bays/<int:pk>/", staff_views.bay_edit, name="bay_edit"),
    path("settings/", staff_views.shop_settings, name="shop_settings"),
    path("staff/", staff_views.staff, name="staff"),
    path("staff/new/", staff_views.staff_edit, name="staff_new"),
    path("staff/<int:pk>/", staff_views.staff_edit, name="staff_edit"),
    # The customer's link
    path("c/<str:token>/", customer_views.customer_order, name="customer_order"),
    path("c/<str:token>/authorise/", customer_views.customer_authorise, name="customer_authorise"),
    path("c/<str:token>/sheet.pdf", customer_views.customer_sheet, name="customer_sheet"),
]
