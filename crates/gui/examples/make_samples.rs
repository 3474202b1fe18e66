//! Writes the sample projects anew: `cargo run -p wetlane --example make_samples [FOLDER]`.

use std::error::Error;
use std::io::Write;
use std::path::PathBuf;

use wetlane::campaign::json_file::write_atomically;
use wetlane::campaign::project_file::to_bytes;
use wetlane::campaign::samples::SAMPLES;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args_os()
        .nth(1)
        .map_or_else(|| PathBuf::from("sample-projects"), PathBuf::from);
    for sample in SAMPLES {
        let project = (sample.make)()?;
        let path = folder.join(sample.file_name);
        write_atomically(&path, &to_bytes(&project)?)?;
        writeln!(
            std::io::stdout(),
            "{}: {} runs",
            path.display(),
            project.runs.len()
        )?;
    }
    Ok(())
}
