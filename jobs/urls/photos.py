"""Addresses of photos and of the shop's logo."""

from django.urls import path

from jobs.views import logo, photos

urlpatterns = [
    path("tickets/<int:number>/photos/new/", photos.add, name="photo-add"),
    path("tickets/<int:number>/photos/<str:frame>/", photos.show, name="photo"),
    path("tickets/<int:number>/photos/<str:frame>/choice/", photos.choice, name="photo-choice"),
    path(
        "tickets/<int:number>/photos/<str:frame>/original/", photos.original, name="photo-original"
    ),
    path("tickets/<int:number>/photos/<str:frame>/<str:size>.jpg", photos.file, name="photo-file"),
    path("shop/logo/", logo.show, name="shop-logo"),
    path("shop/logo/change/", logo.change, name="shop-logo-change"),
]
