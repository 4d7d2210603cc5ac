"""Tables of the shop itself: one model a file."""

from shop.models.car import Car, Ownership
from shop.models.customer import Customer, Phone
from shop.models.person import Person
from shop.models.profile import Profile
from shop.models.series import Series

__all__ = ["Car", "Customer", "Ownership", "Person", "Phone", "Profile", "Series"]
