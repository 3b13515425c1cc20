"""How passwords, PINs and recovery codes are hashed."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class Argon2id(Argon2PasswordHasher):
    """Argon2id as OWASP's cheat sheet has it for little memory (19 MiB, twice, one lane).

    Django's own figures take 100 MiB a sign-in, which eight threads on a small machine cannot pay.
    Hashes of other figures are made anew at the next sign-in.
    """

    time_cost = 2
    memory_cost = 19 * 1024  # KiB
    parallelism = 1
