"""Tells mypy what published stubs of Blender leave open: without it half of all types would be noise.

The stubs have most pointers of the host down as ``X | None``, also those that always point somewhere, and the data of
an object as a union of all that it may be, which depends on ``Object.type``. They do not know what a class gains as
add-ons register, nor what only its subclasses have.
"""

from collections.abc import Callable

from mypy.nodes import MDEF, FuncDef, SymbolTableNode, Var
from mypy.plugin import AttributeContext, ClassDefContext, MethodContext, Plugin
from mypy.types import AnyType, Instance, Type, TypeOfAny, get_proper_type
from mypy.types_utils import remove_optional

ALWAYS_THERE = {
    f"bpy.types.{owner}.{name}"
    for owners, names in (
        ("AddonPreferences Header Menu Operator Panel UIList", "layout"),
        ("ColorRamp", "elements"),
        ("Context", "preferences scene view_layer window_manager workspace"),
        ("Depsgraph", "scene view_layer"),
        ("DepsgraphUpdate", "id"),
        ("ID", "copy original"),
        # Once a material or world has nodes, which newer hosts' always have.
        ("Material World", "node_tree"),
        ("NodeLink", "from_node from_socket to_node to_socket"),
        ("NodeSocket", "links node"),
        ("NodeTree", "links nodes interface"),
        ("Preferences", "edit filepaths inputs system view"),
        ("Scene", "collection"),
        ("ShaderNodeValToRGB Texture", "color_ramp"),
        ("Window", "scene screen view_layer workspace"),
    )
    for owner in owners.split()
    for name in names.split()
}
"""Pointers, and what methods return, that are never None where the host runs the extension."""

DYNAMIC = {
    "bpy.types.AreaSpaces.active",
    "bpy.types.BlendDataLights.new",
    "bpy.types.BlendDataNodeTrees.new",
    "bpy.types.Context.space_data",
    "bpy.types.Nodes.new",
    "bpy.types.Object.data",
    "bpy.types.ObjectModifiers.new",
    "bpy.types.UILayout.operator",
}
"""Attributes, and methods, whose type hangs on a value that is known only as it runs, such as ``Object.type``."""

ARRAY = "bpy.types.bpy_prop_array"
"""What the stubs have colours, sizes and pixels down as; that they can be set, indexed and gone through is left out."""

OPEN = {
    # What only subclasses have, each of its own type.
    "bpy.types.Attribute": ("data",),
    "bpy.types.NodeSocket": ("default_value",),
    # What add-ons, this one and the host's own, enter as they register.
    "bpy.types.Object": ("stampwright",),
    "bpy_extras.io_utils.ExportHelper": ("filepath", "invoke"),
    "bpy_extras.io_utils.ImportHelper": ("filepath", "invoke"),
    # What has other arguments than the stubs say.
    "_bpy_types._GenericUI": ("append", "remove"),
    "bpy.types.NodeTreeInterface": ("new_socket",),
    # What older hosts have.
    "bpy.types.ToolSettings": ("unified_paint_settings",),
    # How properties of one's own are asked for, and how the numbers of a vector are gone through.
    "bpy.types.bpy_struct": ("__contains__",),
    **{f"mathutils.{name}": ("__iter__",) for name in ("Color", "Euler", "Matrix", "Quaternion", "Vector")},
}
"""What classes lack in the stubs, or have of a type that does not go with an operator's: it is of any type."""


def plugin(_version: str) -> type[Plugin]:
    """Hand mypy the plugin; mypy calls this by its name."""
    return HostPlugin


class HostPlugin(Plugin):
    """Corrects the types of the host's attributes."""

    def get_attribute_hook(self, fullname: str) -> Callable[[AttributeContext], Type] | None:
        """Return what corrects the type of an attribute, if anything does."""
        if fullname in ALWAYS_THERE:
            return _never_none
        if fullname in DYNAMIC:
            return _anything
        return _open_array if fullname.startswith("bpy.types.") else None

    def get_method_hook(self, fullname: str) -> Callable[[MethodContext], Type] | None:
        """Return what corrects the type of what a method returns, if anything does."""
        if fullname in DYNAMIC:
            return _anything
        return _made if fullname in ALWAYS_THERE else None

    def get_customize_class_mro_hook(self, fullname: str) -> Callable[[ClassDefContext], None] | None:
        """Return what opens attributes of a class, if it has some to open."""
        return _open_attributes if fullname in OPEN else None


def _anything(_context: AttributeContext | MethodContext) -> Type:
    return AnyType(TypeOfAny.explicit)


def _never_none(context: AttributeContext) -> Type:
    return remove_optional(context.default_attr_type)


def _made(context: MethodContext) -> Type:
    return remove_optional(context.default_return_type)


def _open_array(context: AttributeContext) -> Type:
    found = get_proper_type(context.default_attr_type)
    is_array = isinstance(found, Instance) and found.type.fullname == ARRAY
    return AnyType(TypeOfAny.explicit) if is_array else context.default_attr_type


def _open_attributes(context: ClassDefContext) -> None:
    info = context.cls.info
    body = context.cls.defs.body
    body[:] = [each for each in body if not (isinstance(each, FuncDef) and each.name in OPEN[info.fullname])]
    for name in OPEN[info.fullname]:
        held = Var(name, AnyType(TypeOfAny.explicit))
        held.info, held._fullname = info, f"{info.fullname}.{name}"
        info.names[name] = SymbolTableNode(MDEF, held)
