//! Paper as it comes out: measured, read and looked at by other programs.

mod browser;
mod nasty;
mod picture;
mod read;
mod sheets;
mod together;
mod validator;
