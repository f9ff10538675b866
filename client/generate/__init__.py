"""Writes the typed code of the client from openapi.yaml: results, inputs and methods. A tool for developers.

`make contract` runs it. It reads the contract and nothing else, so the client cannot know more than every reader does.
"""
