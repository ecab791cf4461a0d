"""What pages show: one folder for a page of several parts, one file for a small one."""
