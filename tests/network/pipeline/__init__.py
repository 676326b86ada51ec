"""Tests of the stages from reports to cases."""
