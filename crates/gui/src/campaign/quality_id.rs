//! Names for files and the command line from what people call things.

use super::project::Project;

/// A lower-snake name from a label: letters and digits stay, everything else becomes one underscore.
pub fn id_from(label: &str) -> String {
    let mut id = String::new();
    for c in label.to_lowercase().chars() {
        if c.is_alphanumeric() {
            id.push(c);
        } else if !id.ends_with('_') {
            id.push('_');
        }
    }
    let id = id.trim_matches('_').to_owned();
    if id.is_empty() {
        "quality".to_owned()
    } else {
        id
    }
}

/// A name for a new quality that no other has.
pub fn new_quality_id(project: &Project, label: &str) -> String {
    let plain = id_from(label);
    let mut id = plain.clone();
    let mut number = 2;
    while project.quality(&id).is_some() {
        id = format!("{plain}_{number}");
        number += 1;
    }
    id
}
