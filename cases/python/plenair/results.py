"""Result files as xarray datasets, with units and long names."""
import os

import h5py
import numpy
import xarray

# What a person picks a line by.
_labels = {"point": "point_name", "set_up": "set_up_name"}


def _text(value):
    return value.decode("utf-8") if isinstance(value, bytes) else value


def _attributes(node):
    hidden = {"CLASS", "NAME", "DIMENSION_LIST", "REFERENCE_LIST", "_Netcdf4Dimid", "_NCProperties",
              "_Netcdf4Coordinates", "_FillValue"}
    return {name: _text(value) for name, value in node.attrs.items() if name not in hidden}


def _values(node):
    values = node[()]
    if h5py.check_string_dtype(node.dtype) is not None:
        return numpy.array([_text(v) for v in numpy.ravel(values)], dtype=object).reshape(
            numpy.shape(values))
    if values.dtype.kind == "S":
        return numpy.char.decode(values, "utf-8").astype(object)
    return values


def _dimensions(node):
    """Names of the scales along each axis; those of a scale are its own."""
    if h5py.h5ds.is_scale(node.id):
        return (os.path.basename(node.name),) * node.ndim
    return tuple(os.path.basename(axis[0].name) if len(axis) > 0 else f"{node.name}_{i}"
                 for i, axis in enumerate(node.dims))


def load(path):
    """A result of solve, bench or sweep as xarray.Dataset.

    Every variable has the attributes `units` and `long_name`; the dataset has those of the file: version,
    case_digest, case_text and others. Points and set-ups are labelled by their names.
    """
    variables, scales = {}, {}
    with h5py.File(path, "r") as file:
        attributes = _attributes(file)
        if not str(attributes.get("format", "")).startswith("plenair."):
            raise ValueError(f"{path}: is no result of plenair")

        def take(name, node):
            size_only = _text(node.attrs.get("NAME", "")).startswith("This is a netCDF dimension but not")
            if isinstance(node, h5py.Dataset) and not size_only:
                target = scales if h5py.h5ds.is_scale(node.id) else variables
                target[name.replace("/", "_")] = (_dimensions(node), _values(node), _attributes(node))

        file.visititems(take)
    dataset = xarray.Dataset(variables, coords=scales, attrs=attributes)
    for dimension, names in _labels.items():
        if dimension in dataset.dims and names in dataset:
            dataset = dataset.assign_coords({dimension: dataset[names].values.astype(str)})
    return dataset
