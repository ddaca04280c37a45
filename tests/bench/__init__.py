"""How fast the program is, measured on the real server and said in ratios that carry over to other machines.

Run it by itself, on a machine that does nothing else: `python -m tests.bench`. It prints each measure beside
its demand and ends with exit code 1 where one is missed. pytest does not collect it.
"""
