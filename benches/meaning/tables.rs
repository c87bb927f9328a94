//! The tables that are read: those that come with the program, and some of the same invented co-operative for this bench.

use std::path::Path;

use lampwise::table::{self, LightTable};

/// Files from the project's folder; with a light's id, the rows of that light alone, where rows of several lights hold at
/// the same time.
const FILES: [(&str, Option<&str>); 8] = [
    ("models/tables/orchard-valve.toml", None),
    ("models/tables/cold-store-logger.toml", None),
    ("models/tables/cia-303-3.toml", Some("run")),
    ("models/tables/cia-303-3.toml", Some("err")),
    ("benches/meaning/tables/pump-starter.toml", None),
    ("benches/meaning/tables/weather-mast.toml", None),
    ("benches/meaning/tables/gate-barrier.toml", None),
    ("benches/meaning/tables/field-gateway.toml", None),
];

pub(crate) struct Listed {
    pub(crate) name: String,
    pub(crate) table: LightTable,
}

pub(crate) fn all(named: Option<&str>) -> Result<Vec<Listed>, String> {
    let tables: Vec<Listed> = FILES
        .iter()
        .map(|(file, light)| one(file, *light))
        .collect::<Result<_, _>>()?;
    Ok(match named {
        Some(name) => tables
            .into_iter()
            .filter(|listed| listed.name.contains(name))
            .collect(),
        None => tables,
    })
}

fn one(file: &str, light: Option<&str>) -> Result<Listed, String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let (table, _) = table::load(&path).map_err(|error| match &error {
        table::LoadError::Broken(mistakes) => format!("{file}: {error}\n{}", mistakes.render(false)),
        _ => format!("{file}: {error}"),
    })?;
    let stem = path
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    Ok(match light {
        Some(id) => Listed {
            name: format!("{stem} {id}"),
            table: of_light(table, id),
        },
        None => Listed { name: stem, table },
    })
}

fn of_light(mut table: LightTable, id: &str) -> LightTable {
    let index = table
        .lights
        .iter()
        .position(|light| light.id == id)
        .expect("a light of the file");
    table.lights = vec![table.lights.swap_remove(index)];
    table
        .meanings
        .retain(|meaning| meaning.shows.iter().all(|show| show.light == index));
    for show in table.meanings.iter_mut().flat_map(|meaning| &mut meaning.shows) {
        show.light = 0;
    }
    table
}
