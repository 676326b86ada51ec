"""The API: one module for each resource. Reading is free to all and obeys what each household shows."""
