"""Addresses of the shop's own pages: sign-in, profile, people, customers, cars, help."""

from django.urls import path

from shop.views import cars, customers, door, help, people, profile

urlpatterns = [
    path("sign-in/", door.sign_in, name="sign-in"),
    path("sign-out/", door.sign_out, name="sign-out"),
    path("password/", door.change_password, name="password-change"),
    path("shop/", profile.change, name="shop-profile"),
    path("people/", people.show, name="people"),
    path("people/new/", people.add, name="person-add"),
    path("people/<int:pk>/", people.change, name="person-change"),
    path("customers/<int:pk>/change/", customers.change, name="customer-change"),
    path("cars/<int:pk>/change/", cars.change, name="car-change"),
    path("cars/<int:pk>/owner/", cars.pass_on, name="car-pass-on"),
    path("help/", help.index, name="help"),
    path("help/start/", help.start, name="help-start"),
    path("help/marks/", help.marks, name="help-marks"),
    path("help/simulation/", help.simulation, name="help-simulation"),
    path("help/record/", help.record, name="help-record"),
    path("help/roles/", help.roles, name="help-roles"),
]
