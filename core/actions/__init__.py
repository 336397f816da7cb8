"""The use cases, one per thing a person does; none of them sends anything."""
