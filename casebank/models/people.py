"""Accounts. An account carries a short invented name and no name, address or portrait of a person."""

from typing import Any

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.db import models
from django.utils import timezone


class UserManager(BaseUserManager["User"]):
    def create_user(self, username: str, password: str | None = None, **fields: Any) -> "User":
        """A new account; without a password nobody can sign in to it."""
        if not username:
            raise ValueError("an account needs a name: give one")
        user = self.model(username=username, **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, username: str, password: str | None = None, **fields: Any) -> "User":
        return self.create_user(username, password, is_staff=True, is_superuser=True, **fields)


class User(AbstractBaseUser, PermissionsMixin):
    """An account."""

    username = models.CharField(
        "account name",
        max_length=60,
        unique=True,
        validators=[UnicodeUsernameValidator()],
        error_messages={"unique": "There is an account of that name already: choose another."},
    )
    is_staff = models.BooleanField(default=False)
    is_active = models.BooleanField(default=True)
    date_joined = models.DateTimeField(default=timezone.now)

    objects = UserManager()

    USERNAME_FIELD = "username"

    class Meta:
        ordering = ("username",)

    def __str__(self) -> str:
        return self.username
