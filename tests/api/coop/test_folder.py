"""The data folder is checked as strictly as a body: every error of every file, with file and line."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from api.coop.folders import EXAMPLE, write_folder
from kettlewright import limits
from kettlewright.api.coop import folder as reader
from kettlewright.api.coop.files import LAYOUTS, PACKS_MAX
from kettlewright.api.coop.folder import BadData, read_folder
from kettlewright.api.coop.table import BYTES_MAX, ROWS_MAX

FATS = "key,name,saponification_value_min,saponification_value_max,acid_value,density"
LOTS = "fat,lot,value,tolerance,acid_value,date"
PACKS = "key,name,pack_mass,pack_count,price,currency,supplier,at_most"
NAMES = "key,inci,inci_as_reacted,permitted_in"
SCENTS = "fragrance,cas,name,pct"


def errors_of(folder: Path) -> list[str]:
    with pytest.raises(BadData) as caught:
        read_folder(folder)
    return caught.value.errors


WRONG = [  # file, content, and each error: its line and words of it
    ("fats", FATS + "\nolive,,180,190,,\n", [(2, 'key: "olive" is a key of the table')]),
    ("fats", FATS + "\nmine,olive oil,180,190,,\n", [(2, 'name "olive oil" means "olive" of the table')]),
    ("fats", FATS + "\na_b,,180,190,,\nA B,x,180,190,,\n", [(3, 'key "A B" is not a key'), (3, "on line 2")]),
    ("fats", FATS + "\na,same,180,190,,\nb,Same oil,180,190,,\n", [(3, 'name "Same oil" is too similar')]),
    ("fats", FATS + "\n\n\na,,190,180,,\n", [(4, "swap them")]),  # empty lines count
    ("fats", FATS + '\na,"two\nlines",180,190,,\nb,,,190,,\n',
     [(2, "cannot be printed"), (4, "saponification_value_min is empty")]),
    ("fats", FATS + "\na,,59,401,,0.69\n", [
        (2, "saponification_value_min: A saponification value of 59 is not possible"),
        (2, "saponification_value_max: A saponification value of 401"), (2, "density: The density of a fat of 0.69")]),
    ("fats", FATS + "\na,,0.135,0.14,,\n", [(2, "saponification_value_min: 0.135 looks like grams of alkali"),
                                            (2, "saponification_value_max: 0.14 looks like")]),
    ("fats", FATS + '\na,,"178,5",nan,1e1,\n', [
        (2, 'saponification_value_min "178,5" contains a comma'), (2, 'saponification_value_max "nan" is not a number'),
        (2, 'acid_value "1e1" is not a number')]),
    ("fats", FATS + "\na,,180\n", [(2, "3 cells for 6 columns")]),
    ("fats", FATS + "\na,b,c,180,190,,,\n", [(2, "8 cells for 6 columns; put quotes around text")]),
    ("fats", "key,nam,saponification_value_min,key\na,b,180,a\n", [
        (1, 'column "key" appears 2 times'), (1, '"nam" is not a column of this file. Did you mean "name"?'),
        (1, 'column "saponification_value_max" is missing')]),
    ("fats", "", [(0, "is empty; its first line names the columns key, name")]),
    ("fats", FATS.encode() + b"\na,,180,190,,\n\xff,,180,190,,\n", [(3, "is not UTF-8")]),
    ("fats", FATS + "\na,\0,180,190,,\n", [(2, "contains a zero byte")]),
    ("fats", FATS + '\na,"b"c,180,190,,\n', [(2, "cannot be read as CSV")]),
    ("certificates", LOTS + "\nolive oil,L,190,,,\n", [(2, 'write "olive"')]),
    ("certificates", LOTS + "\nunknown,L,190,,,\n", [(2, 'fat "unknown" is neither a key of fats.csv nor')]),
    ("certificates", LOTS + "\nolive,L,190,,,\nolive,L,191,,,\n", [(3, "already has a certificate on line 2")]),
    ("certificates", LOTS + "\nolive,L,500,51,,\n", [(2, "value: A saponification value of 500"), (2, "tolerance: ")]),
    ("certificates", LOTS + "\nolive,L,190,,191,\n", [(2, "acid_value: An acid value of 191 is not possible")]),
    ("certificates", LOTS + "\nolive,L,190,,,2026-13-01\nolive,,190,,,\n", [(2, 'date: "2026-13-01"'), (3, "lot is")]),
    ("packs", PACKS + "\nolive,,1000,,8.405,EUR,,\n", [(2, "price: 8.405 EUR cannot be paid")]),
    ("packs", PACKS + '\nolive,,1000,,"8,40",EUR,,\n', [(2, 'price "8,40" contains a comma')]),
    ("packs", PACKS + "\nolive,,1000,,eight,eur,,\n", [(2, 'price "eight" is not'), (2, 'currency "eur" is not')]),
    ("packs", PACKS + "\nolive,,1000,,8.40,XXQ,,\n", [(2, "XXQ")]),
    ("packs", PACKS + "\nolive,,1000,,8,EUR,,\ncoconut,,1000,,8,USD,,\n", [(3, "USD differs from EUR on line 2")]),
    ("packs", PACKS + "\nolive,,1000,5,8,EUR,,\nolive,,,,9,EUR,,\n", [
        (2, "give pack_mass or pack_count, not both"), (3, "give pack_mass or pack_count")]),
    ("packs", PACKS + "\nbands,,,5.5,8,EUR,,0\nbands,,0,,8,EUR,,1.5\n", [
        (2, 'pack_count "5.5" is not a whole number'), (2, "at_most: "), (3, 'at_most "1.5"'), (3, "pack_mass: ")]),
    ("packs", PACKS + "\nbands,,,5,8,EUR,,\nbands,,7,,8,EUR,,\n", [(3, "by mass on one line and by the count")]),
    ("packs", PACKS + "\nolive,,5,,8,EUR,,\nolive oil,,5,,9,EUR,,\n", [(3, 'this pack of "olive" is already on line')]),
    ("packs", PACKS + "\nred iron oxide,,5,,8,EUR,,\n", [(2, 'write "red_iron_oxide"')]),
    ("names", NAMES + "\nkaolin,,,\n", [(2, 'The line for "kaolin" is empty')]),
    ("names", NAMES + "\nred oxide,CI 77491,,EU XX\n", [(2, 'permitted_in: "XX" is not known here')]),
    ("names", NAMES + "\nred oxide,A,,\nred_oxide,B,,\n", [(3, 'key "red_oxide" is already on line 2')]),
    ("names", NAMES + "\n%%,A,,\n", [(2, "key needs at least one letter or digit")]),
    ("fragrances", SCENTS + "\nrose,78-70-7,,1\nrose,,Limonen,1\nrose,,,1\nrose,78-70-6,Limonene,1\n", [
        (2, "its check digit does not fit"), (3, 'Did you mean "Limonene"?'), (4, "give cas or name"),
        (5, "give cas or name, not both")]),
    ("fragrances", SCENTS + "\nrose,78-70-6,,80\nRose,,Limonene,30\nrose,78-70-6,,1\n", [
        (4, '"78-70-6" appears twice'), (4, "adds up to 111 %")]),
    ("fragrances", SCENTS + "\nrose,78-70-6,,0\n", [(2, "pct: A share of 0 ")]),
    ("version", "date\n2026-02-30\n2026-03-01\n", [(2, "is not a day of the calendar"), (3, "remove this one")]),
    ("version", "date\n", [(0, "has no date")]),
    ("version", "date\n1026-02-03\n", [(2, "is outside the years 2000 to 2199")]),
]


@pytest.mark.parametrize(("file", "content", "wanted"), WRONG,
                         ids=[f"{case[0]}-{number}" for number, case in enumerate(WRONG)])
def test_each_error_names_its_file_and_line(tmp_path: Path, file: str, content: str | bytes,
                                            wanted: list[tuple[int, str]]) -> None:
    files: dict[str, str | bytes | None] = {"certificates": None, file: content}  # the example's are of its own fats
    found = errors_of(write_folder(tmp_path / "data", **files))
    assert len(found) == len(wanted), found
    for (line, words), text in zip(wanted, found, strict=True):
        assert text.startswith(f"{file}.csv, line {line}: " if line else f"{file}.csv: "), text
        assert words in text
        assert not text.endswith(".")


def test_errors_of_all_files_are_listed_together(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "data", version=None, fats=FATS + "\na,,9,9,,\nb,,8,8,,\n",
                          names=NAMES + "\nx,,,\n")
    (folder / "prices.csv").write_text("key\n")
    (folder / "notes.txt").write_text("call the mill\n")
    found = errors_of(folder)
    for words in ("version.csv is missing", 'prices.csv is not a file of this folder. Did you mean "packs.csv"?',
                  "notes.txt is not a file of this folder", "fats.csv, line 2: saponification_value_min",
                  "fats.csv, line 3: saponification_value_max", "names.csv, line 2", 'certificates.csv, line 4: fat'):
        assert any(words in text for text in found), words
    with pytest.raises(BadData, match=rf"^The data folder {folder} has {len(found)} errors:\n  "):
        read_folder(folder)


def test_a_folder_that_is_not_there_a_file_in_its_place_and_a_link_to_nothing_are_named(tmp_path: Path) -> None:
    assert errors_of(tmp_path / "none") == ["cannot be read: No such file or directory"]
    (tmp_path / "file").write_text("x")
    assert errors_of(tmp_path / "file") == ["cannot be read: Not a directory"]
    folder = write_folder(tmp_path / "data", names=None)
    (folder / "names.csv").symlink_to(folder / "gone.csv")
    assert errors_of(folder) == ["names.csv cannot be read: No such file or directory"]


def test_a_folder_that_changes_while_it_is_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = write_folder(tmp_path / "data")
    listed = reader._listing

    def and_then_changed(path: Path) -> dict[str, tuple[int, int, int]]:
        found = listed(path)
        (path / "names.csv").write_text(NAMES + "\nkaolin,Kaolin,,\n")
        return found

    monkeypatch.setattr(reader, "_listing", and_then_changed)
    assert errors_of(folder) == ["The folder changed while it was read; put the files there again and repeat"]


def test_sizes_are_limited(tmp_path: Path) -> None:
    rows = "".join(f"thing {number},x,,\n" for number in range(ROWS_MAX))
    assert len(read_folder(write_folder(tmp_path / "most", names=f"{NAMES}\n{rows}")).names) == ROWS_MAX
    found = errors_of(write_folder(tmp_path / "more", names=f"{NAMES}\n{rows}one more,x,,\n"))
    assert found == [f"names.csv, line {ROWS_MAX + 2}: the file has more than {ROWS_MAX:,} rows; this and later ones "
                     "were not read"]
    found = errors_of(write_folder(tmp_path / "large", names=b"x" * (BYTES_MAX + 1)))
    assert found[0].startswith("names.csv: has ")


def test_an_ingredient_has_a_limited_number_of_packs(tmp_path: Path) -> None:
    rows = [f"olive,,{number + 1},,8,EUR,," for number in range(PACKS_MAX + 1)]
    assert len(read_folder(write_folder(tmp_path / "most", packs="\n".join([PACKS, *rows[:-1]]))).packs["olive"]) == 20
    assert errors_of(write_folder(tmp_path / "more", packs="\n".join([PACKS, *rows]))) == [
        'packs.csv, line 22: "olive" has more than 20 packs']


def test_both_ends_of_a_range_are_taken_and_one_beyond_is_not(tmp_path: Path) -> None:
    low, high = limits.SAPONIFICATION_VALUE.low, limits.SAPONIFICATION_VALUE.high
    light, heavy = limits.FAT_DENSITY.low, limits.FAT_DENSITY.high
    edges = f"{FATS}\nsoft,,{low:g},{low:g},0,{light}\nhard,,{high:g},{high:g},,{heavy}\n"
    assert set(read_folder(write_folder(tmp_path / "edges", fats=edges, certificates=None)).fats) == {"soft", "hard"}
    beyond = f"{FATS}\nsoft,,{low - 1:g},{low:g},,\nhard,,{high:g},{high + 1:g},,\n"
    assert len(errors_of(write_folder(tmp_path / "beyond", fats=beyond, certificates=None))) == 2


@pytest.mark.parametrize("between", [";", "\t"])
def test_columns_in_any_order_and_separated_as_spreadsheets_do(tmp_path: Path, between: str) -> None:
    rows = [line.split(",") for line in ("lot,value,fat", "L-7,189.4,olive")]
    text = "\ufeff" + "\r\n".join(between.join(row) for row in rows)
    data = read_folder(write_folder(tmp_path / "data", certificates=text))
    assert data.certificates == {("olive", "L-7"): {"value": 189.4}}


def test_names_that_begin_with_a_dot_are_left_alone_and_links_are_followed(tmp_path: Path) -> None:
    # Kubernetes mounts a ConfigMap as links into a hidden folder
    mounted = tmp_path / "mounted"
    (mounted / "..2026").mkdir(parents=True)
    (mounted / "..data").symlink_to("..2026")
    for path in EXAMPLE.glob("*.csv"):
        (mounted / "..2026" / path.name).write_bytes(path.read_bytes())
        (mounted / path.name).symlink_to(Path("..data") / path.name)
    assert read_folder(mounted).version == read_folder(EXAMPLE).version


def test_the_digest_is_that_of_the_files_by_name(tmp_path: Path) -> None:
    whole = hashlib.sha256()
    for path in sorted(EXAMPLE.glob("*.csv")):
        whole.update(f"{path.name}\0{path.stat().st_size}\0".encode() + path.read_bytes())
    found = read_folder(EXAMPLE).version
    assert found.digest == whole.hexdigest()[:12]
    assert found.date == (EXAMPLE / "version.csv").read_text().split()[1]
    changed = read_folder(write_folder(tmp_path / "data", names=NAMES + "\nkaolin,Kaolin ,,\n")).version
    assert changed.digest != found.digest


def test_the_folder_needs_no_file_but_its_version(tmp_path: Path) -> None:
    least = write_folder(tmp_path / "data", **{name: None for name in (path.stem for path in EXAMPLE.glob("*.csv"))
                                               if name != "version"})
    assert not read_folder(least).fats
    assert {path.name for path in EXAMPLE.glob("*.csv")} == set(LAYOUTS)


def test_the_operators_page_has_every_file_with_its_columns() -> None:
    page = (EXAMPLE.parent / "README.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| `([a-z]+\.csv)` \| ([^|]*) \|", page, re.MULTILINE))
    assert list(rows) == list(LAYOUTS)
    for file, layout in LAYOUTS.items():
        columns = re.findall(r"\*\*[a-z_]+\*\*|[a-z]+_[a-z_]+|\b(?:name|tolerance|date|inci|cas|density|supplier)\b",
                             rows[file].partition(" of the data")[0].partition(": a row")[0])
        assert columns == [f"**{one.name}**" if one.required else one.name for one in layout.columns], file
