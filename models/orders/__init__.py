"""Orders: what is short becomes a plan, the plan becomes orders, what comes in goes on the shelf and into its kits."""
