import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { Books } from '../../../../part/Books';
import { NotYours } from '../../../NotYours';

interface Props {
  readonly params: Promise<{ bandId: string; setId: string }>;
}

async function load({ params }: Props) {
  const { bandId, setId } = await params;
  return { setId, result: await pageData().band(bandId, (await headers()).get('cookie')) };
}

export async function generateMetadata(props: Props): Promise<Metadata> {
  const { result, setId } = await load(props);
  const set = result.ok ? result.value.band.sets.find(({ id }) => id === setId) : undefined;
  return { title: set ? `${set.name}: evening book` : 'Not to be opened' };
}

export default async function Book(props: Props) {
  const { setId, result } = await load(props);
  if (!result.ok) return <NotYours problem={result.error} />;
  if (!result.value.band.sets.some(({ id }) => id === setId)) {
    return (
      <NotYours
        problem={{
          what: 'this band has no such set',
          where: 'in the address of this page',
          mend: "choose a set on the band's page",
        }}
      />
    );
  }
  return <Books first={result.value} setId={setId} />;
}
