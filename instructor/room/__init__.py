"""Thirty laptops in one room without the Internet: a kit, a sheet to run it by, and reports."""
