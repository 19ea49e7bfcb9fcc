"""How views are written as JSON, and how that is described: every field there, decimals as numbers of exact digits."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Final, TypeVar

import msgspec
from litestar import Response
from litestar.openapi.spec import OpenAPIType, Schema
from litestar.plugins import OpenAPISchemaPlugin
from litestar.typing import FieldDefinition

T = TypeVar("T")

_ENCODER: Final = msgspec.json.Encoder(decimal_format="number")


class AsPrinted(Response[T]):
    """JSON as the command line prints it."""

    def render(self, content: Any, media_type: str, enc_hook: Any = None) -> bytes:  # noqa: ARG002  the framework's own
        """The bytes of an answer."""
        return _ENCODER.encode(content)


class AsWritten(OpenAPISchemaPlugin):
    """Describes structs and decimals as they are written; the framework's own way describes what it would read."""

    def is_plugin_supported_field(self, field_definition: FieldDefinition) -> bool:
        """True for what is described here."""
        return not field_definition.is_union and field_definition.is_subclass_of((msgspec.Struct, Decimal))

    def to_openapi_schema(self, field_definition: FieldDefinition, schema_creator: Any) -> Schema:
        """The description of one type."""
        if field_definition.is_subclass_of(Decimal):
            return Schema(type=OpenAPIType.NUMBER)
        hints = field_definition.get_type_hints(include_extras=True)
        fields: Iterable[msgspec.structs.FieldInfo] = msgspec.structs.fields(field_definition.annotation)
        omits = field_definition.annotation.__struct_config__.omit_defaults
        made: Schema = schema_creator.create_component_schema(
            field_definition,
            required=sorted(field.encode_name for field in fields if field.required or not omits),
            property_fields={
                field.encode_name: FieldDefinition.from_annotation(hints[field.name], name=field.encode_name)
                for field in fields
            },
        )
        return made
