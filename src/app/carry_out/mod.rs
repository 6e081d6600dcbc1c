//! Carries out what pages, menus, keys and small windows ask for: the only place where the window changes anything.

mod preferences;
