"""Adapters behind the services' ports, and all checking of outside files.

Imports the loom and the ports. Start reading in `assembling` (sheets to job), then `job_folder`
(files) and `memory`; `limits` says how much is too much.
"""
