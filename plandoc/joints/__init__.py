"""One file per kind of joint: what it asks for, what it does to both parts."""
