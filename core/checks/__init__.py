"""The checker: rules that find conflicts in a job, and the runner that drains them."""
