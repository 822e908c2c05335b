"""The Buy area: what is short, the plan, the orders, which sizes to keep."""
