"""A photo of a form in, one reading per field out, each with a confidence."""
