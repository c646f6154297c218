"""What is in a folder of scans, read with pydicom, nibabel and NumPy on rules of its own.

Usage: loader-truth.py groups FOLDER       every group of images with 200 voxels of each
       loader-truth.py slices FOLDER FILE  grey values on slice planes at the points in the JSON file

Prints JSON. Points are LPS mm; grey is the rescaled value in double precision, null where the file declares padding
(PS3.3 C.7.5.1.1.2). Compressed images are unpacked by dcmtk and OpenJPEG.
"""

import gzip
import io
import json
import os
import subprocess
import sys
import tempfile
import warnings
import zipfile

import nibabel
import numpy
import pydicom
import pydicom.encaps

warnings.simplefilter('ignore')

PICKS = 200
DCMTK = {f'1.2.840.10008.1.2.4.{n}': 'dcmdjpeg' for n in (50, 51, 53, 55, 57, 70)}
DCMTK.update({f'1.2.840.10008.1.2.4.{n}': 'dcmdjpls' for n in (80, 81)})
JPEG_2000 = ('1.2.840.10008.1.2.4.90', '1.2.840.10008.1.2.4.91')


def walk(root):
    """Name and bytes of every file; those in zips as ZIP/NAME."""
    for folder, _, names in sorted(os.walk(root)):
        for name in sorted(names):
            path = os.path.join(folder, name)
            with open(path, 'rb') as file:
                data = file.read()
            name = os.path.relpath(path, root)
            yield name, data
            if name.endswith('.zip'):
                with zipfile.ZipFile(io.BytesIO(data)) as packed:
                    for entry in sorted(packed.namelist()):
                        yield f'{name}/{entry}', packed.read(entry)


def dicom(data):
    """A data set that holds pixels, or None. Without preamble the first element must be of group 0008."""
    if data[128:132] != b'DICM' and data[:2] != b'\x08\x00':
        return None
    try:
        d = pydicom.dcmread(io.BytesIO(data), force=True)
        if 'TransferSyntaxUID' not in d.file_meta:
            # Without file meta information a data set is implicit little endian unless a VR shows (PS3.10 7.1).
            d.file_meta.TransferSyntaxUID = '1.2.840.10008.1.2' if d.is_implicit_VR else '1.2.840.10008.1.2.1'
        return d if 'PixelData' in d and 'Rows' in d else None
    except Exception:
        return None


def unpacked(d, tool):
    with tempfile.TemporaryDirectory() as work:
        packed, plain = os.path.join(work, 'packed.dcm'), os.path.join(work, 'plain.dcm')
        d.save_as(packed)
        subprocess.run([tool, packed, plain], check=True, capture_output=True)
        return pydicom.dcmread(plain)


def words_of_jpeg_2000(d):
    frames = []
    for codestream in pydicom.encaps.generate_pixel_data_frame(d.PixelData, int(d.get('NumberOfFrames', 1) or 1)):
        with tempfile.TemporaryDirectory() as work:
            packed, plain = os.path.join(work, 'packed.j2k'), os.path.join(work, 'plain.rawl')
            with open(packed, 'wb') as file:
                file.write(codestream)
            subprocess.run(['opj_decompress', '-i', packed, '-o', plain], check=True, capture_output=True)
            frames.append(numpy.fromfile(plain, f'<i{d.BitsAllocated // 8}'))
    return numpy.stack(frames)


def stored(d):
    """Stored values as frames x rows x columns (PS3.5 8.1.1): masked to Bits Stored, the sign extended."""
    syntax = getattr(d.file_meta, 'TransferSyntaxUID', '')
    if syntax in DCMTK:
        d = unpacked(d, DCMTK[syntax])
    words = words_of_jpeg_2000(d) if syntax in JPEG_2000 else d.pixel_array
    words = words.astype(numpy.int64).reshape(-1, d.Rows, d.Columns)
    bits = d.BitsStored
    values = (words >> (d.HighBit + 1 - bits)) & (2**bits - 1)
    return values - (2**bits) * (values >> (bits - 1)) if d.PixelRepresentation else values


class Frame:
    """One image with its place: a file, or a frame of it."""

    def __init__(self, name, d, n, count):
        self.name, self.d, self.n, self.count = name, d, n, count
        self.position = self.numbers('PlanePositionSequence', 'ImagePositionPatient', count == 1)
        self.orientation = self.numbers('PlaneOrientationSequence', 'ImageOrientationPatient')
        self.spacing = self.numbers('PixelMeasuresSequence', 'PixelSpacing')
        value = 'PixelValueTransformationSequence'
        self.slope = (self.numbers(value, 'RescaleSlope') or [1.0])[0]
        self.intercept = (self.numbers(value, 'RescaleIntercept') or [0.0])[0]

    def numbers(self, macro, keyword, top=True):
        """From the groups of all frames, those of this one, or the top (PS3.3 C.7.6.16)."""
        groups = [self.d.get('SharedFunctionalGroupsSequence', []), self.d.get('PerFrameFunctionalGroupsSequence', [])]
        items = [g[i] for g, i in zip(groups, (0, self.n)) if len(g) > i]
        places = [g[macro].value[0] for g in items if macro in g and len(g[macro].value)]
        for place in places + ([self.d] if top else []):
            value = place.get(keyword)
            if value is not None and value != '':
                return [float(v) for v in (value if isinstance(value, pydicom.multival.MultiValue) else [value])]
        return None

    def placed(self):
        return bool(self.position and self.orientation and self.spacing)

    def axes(self):
        """Steps of one column and of one row, and the normal. Pixel Spacing is between rows first (10.7.1.3)."""
        along, down = numpy.array(self.orientation[:3]), numpy.array(self.orientation[3:])
        return along * self.spacing[1], down * self.spacing[0], numpy.cross(along, down)

    def world(self, row, column):
        across, down, _ = self.axes()
        return numpy.array(self.position) + column * across + row * down

    def grey(self, values):
        out = values * self.slope + self.intercept
        padding = self.d.get('PixelPaddingValue')
        if padding is not None:
            ends = sorted([padding, self.d.get('PixelPaddingRangeLimit', padding)])
            out = numpy.where((values >= ends[0]) & (values <= ends[1]), numpy.nan, out)
        return out


def key(frame):
    """Images that could be one stack: a folder, a series, a size, a direction. A file of many frames is one alone."""
    d = frame.d
    where = frame.name if frame.count > 1 else os.path.dirname(frame.name)
    direction = tuple(round(v, 4) for v in frame.orientation or [])
    return where, str(d.get('SeriesInstanceUID', '')), d.Rows, d.Columns, direction


def groups_of(root):
    groups, rest = {}, []
    for name, data in walk(root):
        d = dicom(data)
        if d is None:
            rest.append((name, data))
            continue
        count = int(d.get('NumberOfFrames', 1) or 1)
        for frame in (Frame(name, d, n, count) for n in range(count)):
            groups.setdefault(key(frame), []).append(frame)
    return groups, rest


def pick(frames, random):
    """Voxels spread over all slices: grey in double precision, the place where the file gives one."""
    cache, out = {}, []
    for _ in range(PICKS):
        frame = frames[random.integers(len(frames))]
        if frame.name not in cache:
            cache[frame.name] = stored(frame.d)
        row, column = int(random.integers(frame.d.Rows)), int(random.integers(frame.d.Columns))
        grey = float(frame.grey(cache[frame.name][frame.n, row, column]))
        out.append({
            'file': frame.name, 'frame': frame.n, 'row': row, 'column': column,
            'world': frame.world(row, column).tolist() if frame.placed() else None,
            'grey': None if numpy.isnan(grey) else grey,
        })
    return out


def stack(frames):
    """How the slices of a group lie, from every position."""
    if len(frames) < 2 or not all(f.placed() for f in frames):
        return None
    normal = frames[0].axes()[2]
    positions = sorted((numpy.array(f.position) for f in frames), key=lambda p: float(normal @ p))
    steps = [float(normal @ (b - a)) for a, b in zip(positions, positions[1:])]
    way = positions[-1] - positions[0]
    length = float(numpy.linalg.norm(way))
    tilt = 0.0 if length == 0 else float(numpy.degrees(numpy.arccos(min(1.0, abs(float(normal @ way)) / length))))
    return {'slices': len(frames), 'stepsMm': steps, 'tiltDeg': tilt}


def parts(frames):
    """A stack stays whole; images at one place, or without one, are taken file by file."""
    lies = stack(frames)
    if lies and min(lies['stepsMm']) > 1e-3:
        return [frames]
    return [[f for f in frames if f.name == name] for name in sorted({f.name for f in frames})]


def dicom_group(frames, random):
    """Damaged streams cannot be picked from; the reason is kept."""
    files = sorted({f.name for f in frames})
    group = {
        'name': files[0] if len(files) == 1 else os.path.dirname(files[0]),
        'series': str(frames[0].d.get('SeriesInstanceUID', '')),
        'files': files,
        'shape': [int(frames[0].d.Columns), int(frames[0].d.Rows), len(frames)],
        'stack': stack(frames),
        'whole': stack(frames) is not None,
    }
    try:
        return {**group, 'voxels': pick(frames, random)}
    except Exception as error:
        return {**group, 'voxels': [], 'unread': type(error).__name__}


def array_group(name, data, index_to_lps, random):
    """A file that holds a volume: the array as [i, j, k], and where index (i, j, k) lies."""
    voxels = []
    for _ in range(PICKS):
        index = [int(random.integers(n)) for n in data.shape]
        voxels.append({
            'file': name, 'frame': 0, 'row': index[1], 'column': index[0],
            'world': (index_to_lps @ numpy.array(index + [1.0]))[:3].tolist(), 'grey': float(data[tuple(index)]),
        })
    return {'name': name, 'series': '', 'files': [name], 'shape': list(data.shape), 'stack': None, 'whole': True, 'voxels': voxels}


def nifti(data):
    image = nibabel.Nifti1Image.from_bytes(gzip.decompress(data) if data[:2] == b'\x1f\x8b' else data)
    return image.get_fdata(), numpy.diag([-1.0, -1.0, 1.0, 1.0]) @ image.affine


def nrrd(data):
    """The attached, unpacked files of the NRRD definition, https://teem.sourceforge.net/nrrd/format.html."""
    head, body = data.split(b'\n\n', 1)
    lines = [line for line in head.decode('ascii').splitlines()[1:] if not line.startswith('#')]
    fields = dict(line.split(': ', 1) for line in lines if ': ' in line)
    vector = lambda text: [float(v) for v in text.strip('()').split(',')]
    assert fields['encoding'] == 'raw' and fields['space'] == 'left-posterior-superior'
    sizes = [int(n) for n in fields['sizes'].split()]
    kinds = {'uint8_t': 'u1', 'int16_t': '<i2', 'float': '<f4'}
    array = numpy.frombuffer(body, kinds[fields['type']])[: int(numpy.prod(sizes))].reshape(sizes, order='F')
    matrix = numpy.eye(4)
    matrix[:3, :3] = numpy.array([vector(v) for v in fields['space directions'].split()]).T
    matrix[:3, 3] = vector(fields['space origin'])
    return array, matrix


VOLUME_FILES = {'.nii': nifti, '.nii.gz': nifti, '.nrrd': nrrd}


def everything(root):
    groups, rest = groups_of(root)
    groups = [part for frames in groups.values() for part in parts(frames)]
    random = numpy.random.default_rng(20240101)
    found = [dicom_group(frames, random) for frames in groups]
    others = []
    for name, data in rest:
        reader = next((read for end, read in VOLUME_FILES.items() if name.endswith(end)), None)
        if reader:
            found.append(array_group(name, *reader(data), random))
        else:
            others.append(name)
    return {'groups': found, 'others': others}


def on_slices(root, points):
    """At each point the value between the pixels of the slice it lies on, and how far from that slice it is."""
    (frames,) = groups_of(root)[0].values()
    normal = frames[0].axes()[2]
    pixels = {f.name: f.grey(stored(f.d)[f.n]) for f in frames}
    places = numpy.array([normal @ numpy.array(f.position) for f in frames])
    out = []
    for point in numpy.array(points):
        distances = normal @ point - places
        n = int(numpy.argmin(abs(distances)))
        across, down, _ = frames[n].axes()
        off = point - numpy.array(frames[n].position)
        column, row = (float(off @ axis) / float(axis @ axis) for axis in (across, down))
        grey, spread = between(pixels[frames[n].name], row, column)
        rows, columns = frames[n].d.Rows, frames[n].d.Columns
        edge = max(-row, row - (rows - 1), -column, column - (columns - 1))
        out.append({'grey': grey, 'spread': spread, 'offMm': float(distances[n]), 'edge': edge})
    return out


def between(image, row, column):
    """Linear, and largest less smallest of the four pixels; None outside of the outermost pixel centres."""
    rows, columns = image.shape
    if not (0 <= row <= rows - 1 and 0 <= column <= columns - 1):
        return None, 0.0
    j, i = min(int(row), rows - 2), min(int(column), columns - 2)
    four = image[j : j + 2, i : i + 2]
    left, right = four[0] * (1 - row + j) + four[1] * (row - j)
    return float(left * (1 - column + i) + right * (column - i)), float(four.max() - four.min())


if sys.argv[1] == 'groups':
    print(json.dumps(everything(sys.argv[2])))
else:
    with open(sys.argv[3]) as file:
        print(json.dumps(on_slices(sys.argv[2], json.load(file))))
