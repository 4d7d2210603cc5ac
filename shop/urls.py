"""Addresses of the project: the shop's own, then the bench's, then the jobs'."""

from django.urls import include, path

urlpatterns = [
    path("", include("shop.routes")),
    path("", include("measurements.urls")),
    path("", include("jobs.urls")),
]

handler400 = "shop.views.errors.bad_request"
handler403 = "shop.views.errors.not_allowed"
handler404 = "shop.views.errors.not_found"
handler500 = "shop.views.errors.broken"
