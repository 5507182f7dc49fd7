"""Rigid geometry in any one length unit; knows no vehicles."""
