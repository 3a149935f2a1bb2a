//! The program as a person runs it: arguments in, files, words and an exit code out. How to write
//! a test here is told in README.md beside this file.

mod audit;
mod check;
mod draw;
mod earns;
mod explain;
mod kinds;
mod kit;
mod largest;
mod lay;
mod make;
mod new;
mod packet_json;
mod remnants;
mod replace;
mod shopping;
mod sizes;
mod table;
mod tag;
mod takes;
mod workroom;
