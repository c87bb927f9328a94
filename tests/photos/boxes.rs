//! HEIC and AVIF files written box by box (ISO/IEC 14496-12 and 23008-12), so that grids, turns and profiles are what
//! the standard says and not what an encoder makes of it.

/// A picture, or how pictures lie beside one another.
pub(crate) struct Item {
    /// `hvc1`, `av01` or `grid`.
    pub(crate) kind: [u8; 4],
    pub(crate) data: Vec<u8>,
    /// Whole property boxes, in the order in which they are applied.
    pub(crate) properties: Vec<Vec<u8>>,
    /// What a grid is made of, by place in the list of items.
    pub(crate) parts: Vec<usize>,
}

pub(crate) fn boxed(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
    let size = u32::try_from(body.len() + 8).unwrap();
    [&size.to_be_bytes()[..], kind, body].concat()
}

fn full(kind: &[u8; 4], version: u8, body: &[u8]) -> Vec<u8> {
    boxed(kind, &[&[version, 0, 0, 0][..], body].concat())
}

/// Size of a picture (`ispe`), pixels.
pub(crate) fn size(width: u32, height: u32) -> Vec<u8> {
    full(b"ispe", 0, &[width.to_be_bytes(), height.to_be_bytes()].concat())
}

/// Anticlockwise turn by so many quarters (`irot`).
pub(crate) fn turn(quarters: u8) -> Vec<u8> {
    boxed(b"irot", &[quarters])
}

/// Mirrored (`imir`): 0 swaps top and bottom, 1 left and right (ISO/IEC 23008-12:2022, 6.5.12).
pub(crate) fn mirror(axis: u8) -> Vec<u8> {
    boxed(b"imir", &[axis])
}

/// An ICC profile (`colr`).
pub(crate) fn profile(icc: &[u8]) -> Vec<u8> {
    boxed(b"colr", &[&b"prof"[..], icc].concat())
}

/// The numbers of ITU-T H.273 (`colr`), full range.
pub(crate) fn numbers(primaries: u16, transfer: u16, matrix: u16) -> Vec<u8> {
    let [primaries, transfer, matrix] = [primaries, transfer, matrix].map(u16::to_be_bytes);
    boxed(
        b"colr",
        &[&b"nclx"[..], &primaries, &transfer, &matrix, &[0x80]].concat(),
    )
}

/// The data of a `grid` item (ISO/IEC 23008-12, 6.6.2.3): rows and columns of tiles, cut to a size.
pub(crate) fn grid(rows: u8, columns: u8, (width, height): (u32, u32)) -> Vec<u8> {
    let head = [0, 1, rows - 1, columns - 1];
    [&head[..], &width.to_be_bytes(), &height.to_be_bytes()].concat()
}

/// A file whose first item is the photo.
pub(crate) fn file(brand: &[u8; 4], items: &[Item]) -> Vec<u8> {
    let head = boxed(b"ftyp", &[&brand[..], &[0; 4], b"mif1", brand].concat());
    // The places depend on the size of what holds them, which does not depend on the places.
    let rest = meta(items, 0).len() + 8;
    let start = u32::try_from(head.len() + rest).unwrap();
    let data: Vec<u8> = items.iter().flat_map(|item| item.data.clone()).collect();
    [head, meta(items, start), boxed(b"mdat", &data)].concat()
}

fn id(index: usize) -> [u8; 2] {
    u16::try_from(index + 1).unwrap().to_be_bytes()
}

fn count(items: usize) -> [u8; 2] {
    u16::try_from(items).unwrap().to_be_bytes()
}

fn meta(items: &[Item], start: u32) -> Vec<u8> {
    let handler = full(b"hdlr", 0, &[&[0; 4][..], b"pict", &[0; 13]].concat());
    let primary = full(b"pitm", 0, &id(0));
    let entries: Vec<u8> = items
        .iter()
        .enumerate()
        .flat_map(|(index, item)| full(b"infe", 2, &[&id(index)[..], &[0; 2], &item.kind, &[0]].concat()))
        .collect();
    let entries = full(b"iinf", 0, &[&count(items.len())[..], &entries].concat());
    let body = [
        handler,
        primary,
        entries,
        references(items),
        properties(items),
        places(items, start),
    ];
    full(b"meta", 0, &body.concat())
}

fn references(items: &[Item]) -> Vec<u8> {
    let of = |(index, item): (usize, &Item)| {
        let parts: Vec<u8> = item.parts.iter().flat_map(|part| id(*part)).collect();
        boxed(
            b"dimg",
            &[&id(index)[..], &count(item.parts.len()), &parts].concat(),
        )
    };
    let grids = items
        .iter()
        .enumerate()
        .filter(|(_, item)| !item.parts.is_empty());
    let references: Vec<u8> = grids.flat_map(of).collect();
    if references.is_empty() {
        Vec::new()
    } else {
        full(b"iref", 0, &references)
    }
}

fn properties(items: &[Item]) -> Vec<u8> {
    let boxes: Vec<u8> = items.iter().flat_map(|item| item.properties.concat()).collect();
    let mut next = 0_u8;
    let mut links = u32::try_from(items.len()).unwrap().to_be_bytes().to_vec();
    for (index, item) in items.iter().enumerate() {
        links.extend(id(index));
        links.push(u8::try_from(item.properties.len()).unwrap());
        for property in &item.properties {
            next += 1;
            // Without these a picture would be shown wrongly: they are marked essential.
            let essential = matches!(&property[4..8], b"hvcC" | b"av1C" | b"irot" | b"imir");
            links.push(next | if essential { 0x80 } else { 0 });
        }
    }
    boxed(
        b"iprp",
        &[boxed(b"ipco", &boxes), full(b"ipma", 0, &links)].concat(),
    )
}

fn places(items: &[Item], start: u32) -> Vec<u8> {
    // Offsets and lengths of four bytes, no base.
    let mut body = vec![0x44, 0];
    body.extend(count(items.len()));
    let mut at = start;
    for (index, item) in items.iter().enumerate() {
        let length = u32::try_from(item.data.len()).unwrap();
        body.extend(id(index));
        body.extend([0, 0, 0, 1]);
        body.extend(at.to_be_bytes());
        body.extend(length.to_be_bytes());
        at += length;
    }
    full(b"iloc", 0, &body)
}
