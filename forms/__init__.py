"""The form language: fields on paper, their place in millimetres, their printing and numbers."""
