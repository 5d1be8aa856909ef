"""The rule language: text of rule files to a book, and back. Only this package imports pyparsing and pydantic."""
