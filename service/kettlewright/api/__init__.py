"""The door: routes, schemas, units at the edge, problems, other forms of a reply."""
