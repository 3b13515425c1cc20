#!/usr/bin/env python3
"""Django's own manage.py, plus the bootstrap call that makes a fresh machine ready."""

import sys

from shop.bootstrap import main

if __name__ == "__main__":
    sys.exit(main(sys.argv))
