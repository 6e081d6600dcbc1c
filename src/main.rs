//! The program: the window, and commands for scripts and rooms without a display.

// On Windows the program keeps its console. Marking it as a windows program (`windows_subsystem`) would cut the commands off
// from the terminal they are typed in, and winning it back needs calls that `unsafe_code = "forbid"` rules out. The price is
// a console beside the window when it is started by a double click there; what goes wrong can be read in it.

fn main() -> std::process::ExitCode {
    slakeline::cli::main(std::env::args_os())
}
