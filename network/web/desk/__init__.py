"""The steward's desk: what is doubted, the evidence on one sheet, decisions and their trail, approvals."""
