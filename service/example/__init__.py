"""The example job, run from its photos to its cutting sheets."""

from service.example.run import run_example

__all__ = ["run_example"]
