"""Quantities, uncertainty, limits, decisions and procedures; no Django in here."""
