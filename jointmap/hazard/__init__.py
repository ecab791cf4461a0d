"""The failure model: rates, ageing and trend learnt from a record, dates from them."""
