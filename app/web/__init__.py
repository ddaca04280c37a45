"""The pages and the JSON interface: parse, call one service, show."""
