"""Forecasts held to what they promise, on colonies whose courses are assumed: `python -m tests.backtest`."""
